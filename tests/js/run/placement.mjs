/* Computes placements with the cab file's script: node placement.mjs INPUT OUTPUT. Input: {data, situations, looks};
   output: {placements, looks, disagreements}. The Python tests compare them with the engine's. */
import { readFileSync, writeFileSync } from "node:fs";
import { part } from "../module.js";

const { createPlacement } = await part("placement");
const [, , input, output] = process.argv;
const { data, situations, looks } = JSON.parse(readFileSync(input, "utf8"));
const engine = createPlacement(data);
const alone = ({ sides }) => Object.fromEntries(sides.map(({ toward, approach }) => [toward, approach.vehicleFt]));
const placements = situations.map((situation) => {
  const found = engine.place(situation);
  return { ...found.values, vehicle_only_ft: alone(found) };
});
const result = {
  placements,
  looks: looks.map(({ situation, toward, distance_ft }) => engine.lookBack(situation, toward, distance_ft)),
  disagreements: engine.disagreements(),
};
writeFileSync(output, JSON.stringify(result));

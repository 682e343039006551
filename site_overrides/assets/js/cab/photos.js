/* Photos inside the record: taken by the tablet's camera, scaled down, kept in its database, never sent. A photo that
   was scaled down holds nothing but its picture: the data that a camera adds, such as a position, stays behind. */

const LONGEST_SIDE_PX = 1600;
const MOST_PHOTOS = 24;
const JPEG_QUALITY = 0.8;

/* The photos in the order in which they were taken: id and time of each. */
const knownPhotos = () =>
  Object.entries(recalledTable("photos"))
    .filter(([, photo]) => photo && isTime(photo.at))
    .map(([id, photo]) => ({ id, at: photo.at }))
    .sort((a, b) => a.at - b.at);

/* A photo as a data URL; an empty text where the tablet has it no more. */
const photoSource = (id) =>
  store.file(id).then((kept) => {
    if (!kept || !(kept.bytes instanceof ArrayBuffer)) return "";
    const pieces = [];
    const bytes = new Uint8Array(kept.bytes);
    for (let at = 0; at < bytes.length; at += 8192) pieces.push(String.fromCharCode(...bytes.subarray(at, at + 8192)));
    return "data:image/jpeg;base64," + window.btoa(pieces.join(""));
  });

const dropPhotos = (ids) => (ids.length ? store.dropFiles(ids).catch(() => {}) : Promise.resolve());

const scaledPhoto = async (file) => {
  const picture = await window.createImageBitmap(file);
  const { width, height } = scaledDown(picture.width, picture.height, LONGEST_SIDE_PX);
  const canvas = made("canvas", { width, height });
  canvas.getContext("2d").drawImage(picture, 0, 0, width, height);
  picture.close();
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", JPEG_QUALITY));
  if (!blob) throw new Error("no picture");
  return blob.arrayBuffer();
};

part("photos", () => {
  const input = one("[data-photo-input]");
  const list = one("[data-photos]");
  const said = one("[data-photo-said]");

  const say = (text) => {
    said.textContent = text;
  };

  const keep = async (file) => {
    let bytes = null;
    try {
      bytes = await scaledPhoto(file);
    } catch (fault) {
      return say(words.photo_unread);
    }
    const id = nextLineId([], PAGE_NAME) + "-" + now();
    try {
      await store.keepFile(id, { bytes });
    } catch (fault) {
      return say(fault && fault.name === "QuotaExceededError" ? words.photo_no_room : words.photo_not_kept);
    }
    const photos = recalledTable("photos");
    photos[id] = { at: now() };
    remember("photos", photos);
    note("photo/" + id, words.photo_taken);
    say("");
    return draw();
  };

  const remove = (id) => {
    const photos = recalledTable("photos");
    delete photos[id];
    remember("photos", photos);
    note("photo/" + id, words.photo_deleted);
    dropPhotos([id]);
    draw();
  };

  const card = ({ id, at }, number) => {
    const picture = made("img", { alt: filled(words.photo_name, { number, time: dayTime(at) }) });
    const button = made("button", { type: "button", "data-photo-delete": id }, words.photo_delete);
    on(button, "click", () => askTwice(button, words.photo_delete_ask, () => remove(id), words.photo_delete));
    photoSource(id).then(
      (source) => {
        if (source) picture.src = source;
      },
      () => {}
    );
    return made("li", { "data-photo": id }, [picture, made("p", {}, filled(words.photo_name, { number, time: dayTime(at) })), made("p", {}, [button])]);
  };

  const draw = () => {
    if (place.screen !== "record") return;
    const photos = knownPhotos();
    input.disabled = photos.length >= MOST_PHOTOS;
    const shown = all("[data-photo]", list).map((item) => item.getAttribute("data-photo"));
    if (JSON.stringify(shown) === JSON.stringify(photos.map(({ id }) => id))) return;
    emptied(list);
    photos.forEach((photo, at) => list.appendChild(card(photo, at + 1)));
  };

  on(input, "change", () => {
    const files = Array.from(input.files || []).slice(0, MOST_PHOTOS - knownPhotos().length);
    say(files.length ? words.photo_reading : "");
    files.reduce((before, file) => before.then(() => keep(file)), Promise.resolve()).then(() => {
      input.value = "";
    });
  });

  listen("shown", draw);
  listen("cleared", draw);
  listen("changed-elsewhere", draw);
});

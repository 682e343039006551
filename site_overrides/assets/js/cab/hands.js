/* Hands free: the screen kept on, each step read aloud as it opens, a sound or a vibration when time runs out.
   Each is off until the driver switches it on, and its switch is hidden where the browser cannot do it. */

part("hands", () => {
  const switches = all("[data-hands]");
  const limit = data.limit ? data.limit * 1000 : null;
  const Sound = window.AudioContext;
  const kept = {
    awake: () => recalled("awake"),
    aloud: () => recalled("aloud"),
    sound: () => recalled("sound"),
    shake: () => recalled("shake"),
  };
  const isOn = (name) => kept[name]() === "on";
  let lock = null;
  let asking = false;
  let sound = null;
  let restBefore = null;

  const can = {
    awake: () => Boolean(navigator.wakeLock),
    aloud: () => localVoice() !== null,
    sound: () => Boolean(Sound) && limit !== null,
    shake: () => typeof navigator.vibrate === "function" && navigator.maxTouchPoints > 0 && limit !== null,
  };

  const clockRuns = () => recalledTime("stopped") !== null && recalledTime("out") === null;

  /* The browser lets the lock go when the page is put aside; it is asked for again when the page is back. */
  const keepAwake = () => {
    const section = screens[place.screen];
    const works = Boolean(section && section.hasAttribute("data-procedure")) || clockRuns();
    const wanted = can.awake() && isOn("awake") && works && !document.hidden;
    if (!wanted && lock) {
      lock.release().catch(() => {});
      lock = null;
    }
    if (!wanted || asking || (lock && !lock.released)) return;
    asking = true;
    navigator.wakeLock.request("screen").then(
      (given) => {
        asking = false;
        lock = given;
        keepAwake();
      },
      () => {
        asking = false; // Refused, as on a low battery: asked again on the next screen.
      }
    );
  };

  /* A sound needs a tap before it: the first one after opening the page wakes it. */
  const wakeSound = () => {
    if (!can.sound() || !isOn("sound")) return;
    if (!sound) sound = new Sound();
    if (sound.state === "suspended") sound.resume().catch(() => {});
  };

  const play = (minutes) => {
    wakeSound();
    tonesFor(minutes).forEach(({ at_s, long_s, pitch_hz }) => {
      const tone = sound.createOscillator();
      const loud = sound.createGain();
      tone.frequency.value = pitch_hz;
      loud.gain.value = 0.5;
      tone.connect(loud);
      loud.connect(sound.destination);
      tone.start(sound.currentTime + at_s);
      tone.stop(sound.currentTime + at_s + long_s);
    });
  };

  const signal = (minutes) => {
    if (isOn("sound") && can.sound()) play(minutes);
    if (isOn("shake") && can.shake()) navigator.vibrate(shakesFor(minutes));
  };

  const look = () => {
    const rest = limit !== null && devicesDue() ? Math.min(limit, recalledTime("stopped") + limit - now()) : null;
    const minutes = signalBetween(restBefore, rest);
    restBefore = rest;
    if (minutes !== null) signal(minutes);
  };

  const readStep = (where) => {
    if (!isOn("aloud") || !can.aloud()) return;
    const section = screens[where.screen];
    const order = section && section.getAttribute("data-view") === "step" && one(".step.is-now .step__do", section);
    if (order) say(spokenOrder(order.innerText));
  };

  const draw = () => {
    switches.forEach((button) => {
      const name = button.getAttribute("data-hands");
      button.hidden = !can[name]();
      button.setAttribute("aria-pressed", String(isOn(name)));
    });
    one("[data-hands-none]").hidden = switches.some((button) => !button.hidden);
  };

  switches.forEach((button) => {
    on(button, "click", () => {
      const name = button.getAttribute("data-hands");
      remember(name, isOn(name) ? null : "on");
      draw();
      keepAwake();
      if (!isOn(name)) return;
      if (name === "sound") play(5);
      if (name === "shake") navigator.vibrate(shakesFor(5));
      if (name === "aloud") say(spokenOrder(button.innerText));
    });
  });

  document.addEventListener("click", guarded(wakeSound));
  document.addEventListener("visibilitychange", guarded(keepAwake));
  window.setInterval(
    guarded(() => {
      look();
      keepAwake();
    }),
    1000
  );
  listen("shown", keepAwake);
  listen("shown", readStep);
  listen("voices", draw);
  listen("changed-elsewhere", draw);
  draw();
  look();
});

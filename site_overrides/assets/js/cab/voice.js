/* Read aloud, only with a voice that is on the tablet itself: others would send the words away. */

let localVoice = () => null;
let say = () => {};

part("voice", () => {
  const button = one("[data-voice]");
  const speech = window.speechSynthesis;
  if (!speech || !window.SpeechSynthesisUtterance) return;

  /* A voice of the same country first; some tablets write es_US for es-US. */
  const voiceOf = (language) => {
    const voices = speech.getVoices().filter((one) => one.localService);
    const same = voices.find((one) => one.lang.replace("_", "-").toLowerCase() === language.toLowerCase());
    return same || voices.find((one) => one.lang.slice(0, 2).toLowerCase() === language.slice(0, 2)) || null;
  };
  localVoice = () => voiceOf(root.lang);

  /* What no voice on the tablet can read in its own language is left out: in another it would be no words. */
  say = (text, language = root.lang) => {
    const voice = voiceOf(language);
    if (!voice) return;
    const spoken = new SpeechSynthesisUtterance(text);
    spoken.voice = voice;
    spoken.lang = voice.lang;
    speech.speak(spoken);
  };

  const offer = () => {
    button.hidden = !localVoice();
    announce("voices");
  };

  /* Of a step the step, of a tool its answer alone, of any other screen its whole text. */
  const visibleElement = () => {
    const open = screens[place.screen];
    const wanted = open.getAttribute("data-view") === "step" ? one(".step.is-now", open) : one("[data-answer]", open);
    return wanted && wanted.innerText.trim() ? wanted : open;
  };

  /* Lines with the language of each: in another language's file some stand in English. */
  const linesOf = (element) => {
    const cut = (text) => text.split(/\n+/).map((line) => line.trim()).filter(Boolean);
    const others = new Map(all("[lang]", element).flatMap((one) => cut(one.innerText).map((line) => [line, one.lang])));
    return cut(element.innerText).map((line) => [line, others.get(line) || root.lang]);
  };

  on(button, "click", () => {
    const speaks = speech.speaking;
    speech.cancel();
    if (speaks) return;
    linesOf(visibleElement()).forEach(([line, language]) => say(line, language));
  });
  listen("shown", () => speech.cancel());
  if (speech.addEventListener) speech.addEventListener("voiceschanged", guarded(offer));
  offer();
});

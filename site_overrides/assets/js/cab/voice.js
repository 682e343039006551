/* Read aloud, only with a voice that is on the tablet itself: others would send the words away. */

let localVoice = () => null;
let say = () => {};

part("voice", () => {
  const button = one("[data-voice]");
  const speech = window.speechSynthesis;
  if (!speech || !window.SpeechSynthesisUtterance) return;

  localVoice = () => speech.getVoices().find((one) => one.localService && one.lang.slice(0, 2) === root.lang.slice(0, 2)) || null;

  say = (text) => {
    const spoken = new SpeechSynthesisUtterance(text);
    spoken.voice = localVoice();
    spoken.lang = spoken.voice.lang;
    speech.speak(spoken);
  };

  const offer = () => {
    button.hidden = !localVoice();
    tell("voices");
  };

  /* Of a step the step, of a tool its answer alone, of any other screen its whole text. */
  const visibleText = () => {
    const open = screens[place.screen];
    const wanted = open.getAttribute("data-view") === "step" ? one(".step.is-now", open) : one("[data-answer]", open);
    return (wanted && wanted.innerText.trim() ? wanted : open).innerText;
  };

  on(button, "click", () => {
    const speaks = speech.speaking;
    speech.cancel();
    if (speaks) return;
    visibleText()
      .split(/\n+/)
      .filter((line) => line.trim())
      .forEach(say);
  });
  hear("shown", () => speech.cancel());
  if (speech.addEventListener) speech.addEventListener("voiceschanged", guarded(offer));
  offer();
});

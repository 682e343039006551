/* Read aloud, only with a voice that is on the tablet itself: others would send the words away. */

part("voice", function () {
  var button = one("[data-voice]");
  var speech = window.speechSynthesis;
  if (!speech || !window.SpeechSynthesisUtterance) return;

  function voice() {
    var local = speech.getVoices().filter(function (one) {
      return one.localService && one.lang.slice(0, 2) === "en";
    });
    return local[0] || null;
  }

  function offer() {
    button.hidden = !voice();
  }

  function visibleText() {
    var open = screens[place.screen];
    var wanted = open.getAttribute("data-view") === "step" ? one(".step.is-now", open) : open;
    return wanted.innerText;
  }

  on(button, "click", function () {
    var speaks = speech.speaking;
    speech.cancel();
    if (speaks) return;
    visibleText()
      .split(/\n+/)
      .forEach(function (line) {
        if (!line.trim()) return;
        var words = new SpeechSynthesisUtterance(line);
        words.voice = voice();
        words.lang = words.voice.lang;
        speech.speak(words);
      });
  });
  hear("shown", function () {
    speech.cancel();
  });
  if (speech.addEventListener) speech.addEventListener("voiceschanged", guarded(offer));
  offer();
});

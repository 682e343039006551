/* The same file in another language: one tap, at the screen that is open, and remembered for the next time.

   What is remembered of the language is read before anything is painted: first.js opens the other file then. */

part("language", () => {
  all("[data-language]").forEach((link) => {
    on(link, "click", () => {
      link.hash = window.location.hash;
      try {
        window.localStorage.setItem("forty-paces/language", JSON.stringify(link.hreflang));
        window.localStorage.removeItem("forty-paces/going");
      } catch (fault) {
        /* It opens all the same, and is asked for again the next time. */
      }
    });
  });
});

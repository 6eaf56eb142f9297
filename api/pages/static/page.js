// Comfort only: every page works without it, by reloading.
"use strict";
(() => {
  // A part of the page that is fetched anew while something goes on.
  const watch = (part) => {
    const every = Number(part.dataset.every) || 1500;
    const told = document.getElementById(part.dataset.told);
    const look = async () => {
      try {
        const answer = await fetch(part.dataset.watch, { headers: { accept: "text/html" } });
        if (answer.ok) show(await answer.text());
      } catch { /* The server is away for a moment: look again. */ }
      if (!part.querySelector("[data-ended]")) setTimeout(look, every);
    };
    const show = (text) => {
      if (part.contains(document.activeElement)) return;
      part.innerHTML = text;
      const now = part.querySelector("[data-say]");
      if (told && now && told.textContent !== now.dataset.say) told.textContent = now.dataset.say;
      const ended = Boolean(part.querySelector("[data-ended]"));
      document.querySelectorAll("[data-while-going]").forEach((one) => { one.hidden = ended; });
    };
    if (!part.querySelector("[data-ended]")) setTimeout(look, every);
  };
  document.querySelectorAll("[data-watch]").forEach(watch);

  // A file that the server would refuse is told before it is sent.
  document.querySelectorAll("form[data-most-bytes]").forEach((form) => {
    form.addEventListener("submit", (event) => {
      const bytes = [...form.querySelectorAll("input[type=file]")].flatMap((one) => [...one.files]).reduce((sum, file) => sum + file.size, 0);
      const warning = form.querySelector("[data-too-large]");
      const tooLarge = bytes > Number(form.dataset.mostBytes);
      warning.hidden = !tooLarge;
      if (tooLarge) { event.preventDefault(); warning.focus(); }
    });
  });

  document.querySelectorAll("[data-print]").forEach((button) => {
    button.hidden = false;
    button.addEventListener("click", () => window.print());
  });
})();

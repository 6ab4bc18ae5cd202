"use strict";
(() => {
  // Asks the program on this machine whether the car was checked anew; where the page is in view.
  let shown = null;
  const ask = async () => {
    try {
      const answer = await fetch("version", { cache: "no-store" });
      const version = await answer.text();
      shown ??= version;
      if (version !== shown) {
        location.reload();
        return;
      }
      document.documentElement.dataset.watched = "yes";
    } catch {
      document.documentElement.dataset.watched = "no";
    }
    setTimeout(ask, document.hidden ? 3000 : 500);
  };
  ask();
})();

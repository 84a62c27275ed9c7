// A centimetre of cloth as a centimetre of the screen: the reader fits a drawn card to a real one.
(() => {
  "use strict";
  const KEPT = "card as wide as mine";
  const kept = () => {
    try { return localStorage.getItem(KEPT); } catch { return null; }
  };
  const keep = (value) => {
    try { localStorage.setItem(KEPT, value); } catch { /* it is asked for again */ }
  };
  for (const real of document.querySelectorAll(".real")) {
    const slider = real.querySelector("input");
    const show = () => real.style.setProperty("--mm", `${Number(slider.value) / 100}mm`);
    if (kept()) slider.value = kept();
    real.querySelector(".fits").hidden = false;
    real.querySelector(".lies").hidden = true;
    slider.addEventListener("input", () => { show(); keep(slider.value); });
    show();
  }
})();

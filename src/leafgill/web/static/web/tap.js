// Tap along with the bubbles: the first tap starts the clock, each later one is one bubble more.
// It stops by itself when the rate is known well enough, or when the tapping stops.
"use strict";

(() => {
  const ENOUGH = 0.065; // half of the 90 % interval, as a part of the rate
  const LEAST_S = 5, LEAST = 12, MOST = 60;
  const Z90 = 1.6449;

  // The error that the belief gives a count of n bubbles, and what the taps' own scatter adds.
  function errorOf(taps, about) {
    const n = taps.length - 1;
    const seconds = (taps[n] - taps[0]) / 1000;
    const rate = n / seconds;
    const blur = rate > about.blurFrom ? about.blur : 0;
    const counted = Math.hypot(about.end / n, about.eye, blur);
    const gaps = taps.slice(1).map((at, i) => at - taps[i]);
    const mean = gaps.reduce((sum, gap) => sum + gap, 0) / n;
    const variance = gaps.reduce((sum, gap) => sum + (gap - mean) ** 2, 0) / Math.max(n - 1, 1);
    const scatter = Math.sqrt(variance) / mean / Math.sqrt(n);
    return { n, seconds, rate, part: Z90 * Math.max(counted, n > 3 ? scatter : 0), scatter, blur };
  }

  function steady(found) {
    if (found.n >= MOST) return true;
    if (found.n < LEAST || found.seconds < LEAST_S) return false;
    // where the eye blurs, more taps do not help
    return found.blur ? found.n >= 2 * LEAST : found.part <= ENOUGH;
  }

  function begin(form) {
    const part = form.querySelector("[data-tap-part]");
    if (!part || form.dataset.tapReady) return;
    form.dataset.tapReady = "yes";
    const about = {
      end: Number(form.dataset.end), eye: Number(form.dataset.eye),
      blur: Number(form.dataset.blur), blurFrom: Number(form.dataset.blurFrom),
    };
    const pad = part.querySelector("[data-tap-pad]");
    const say = part.querySelector("[data-tap-say]");
    const says = part.querySelector("[data-tap-says]");
    const again = part.querySelector("[data-tap-again]");
    const value = form.querySelector("[name=value]"), seconds = form.querySelector("[name=seconds]");
    const write = form.querySelector("button[type=submit]");
    const number = (x, digits) => x.toFixed(digits).replace(".", form.dataset.decimal || ".");
    let taps = [], waiting = 0, done = false;

    part.hidden = false;

    function clear() {
      clearTimeout(waiting);
      taps = [];
      done = false;
      delete pad.dataset.done;
      say.textContent = "Tap once a bubble";
      says.textContent = "";
      again.hidden = true;
    }

    function tell(found) {
      const low = number(found.rate * (1 - found.part), 2), high = number(found.rate * (1 + found.part), 2);
      const counted = `${found.n} bubble${found.n === 1 ? "" : "s"} in ${number(found.seconds, 1)} s`;
      says.textContent = found.n < 4 ? counted : `${counted}: ${number(found.rate, 2)} per s, ${low} to ${high}`;
    }

    function finish(why) {
      clearTimeout(waiting);
      done = true;
      pad.dataset.done = "yes";
      again.hidden = false;
      if (taps.length < 4) {
        clear();
        says.textContent = "Too few taps to tell a rate. Begin again with a bubble.";
        return;
      }
      const found = errorOf(taps, about);
      value.value = String(found.n);
      seconds.value = number(found.seconds, 1);
      tell(found);
      say.textContent = why;
      if (navigator.vibrate) navigator.vibrate(120);
      write.scrollIntoView({ block: "nearest" });
    }

    function tap(at) {
      if (done) return;
      taps.push(at);
      clearTimeout(waiting);
      if (taps.length === 1) {
        say.textContent = "Go on: once a bubble";
        waiting = setTimeout(clear, 20000);
        return;
      }
      const found = errorOf(taps, about);
      say.textContent = String(found.n);
      tell(found);
      if (steady(found)) finish("Enough: the rate is steady");
      else waiting = setTimeout(() => finish("Stopped with your last tap"), Math.max(4000, 4000 / found.rate));
    }

    // down, not click: a click waits for the finger to leave
    pad.addEventListener("pointerdown", (event) => {
      if (event.button === 0) tap(event.timeStamp);
    });
    pad.addEventListener("keydown", (event) => {
      if (event.repeat || (event.key !== " " && event.key !== "Enter")) return;
      event.preventDefault();
      tap(event.timeStamp);
    });
    again.addEventListener("click", () => {
      clear();
      pad.focus();
    });
  }

  function all() {
    for (const form of document.querySelectorAll("form[data-tap]")) begin(form);
  }
  document.addEventListener("DOMContentLoaded", all);
  document.addEventListener("htmx:load", all);
})();

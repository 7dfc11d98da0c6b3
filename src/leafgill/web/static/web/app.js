// What pages do by themselves: a countdown, and where the eye goes after a form was refused.
"use strict";

function said(minutes) {
  if (minutes < 1) return "less than a minute";
  const whole = Math.round(minutes);
  if (whole < 60) return `${whole} min`;
  const hours = Math.floor(whole / 60);
  if (hours < 24) return whole % 60 ? `${hours} h ${String(whole % 60).padStart(2, "0")} min` : `${hours} h`;
  const days = Math.floor(hours / 24);
  return `${days} day${days === 1 ? "" : "s"}${hours % 24 ? ` ${hours % 24} h` : ""}`;
}

// The server's clock counts, not the device's: the page brings the moment it was made at.
function countDown() {
  const page = document.querySelector("[data-made-at]");
  if (!page) return;
  const apart = page.dataset.standing === "yes" ? null : Date.parse(page.dataset.madeAt) - Date.now();
  for (const mark of document.querySelectorAll("[data-until]")) {
    const now = apart === null ? Date.parse(page.dataset.madeAt) : Date.now() + apart;
    const minutes = (Date.parse(mark.dataset.until) - now) / 60000;
    mark.textContent = minutes > 0 ? `in ${said(minutes)}` : `due since ${said(-minutes)}`;
  }
}

function toWhatIsWrong(inside) {
  const wrong = inside.querySelector(".notice-wrong[role=alert], [aria-invalid=true]");
  if (wrong) wrong.focus();
}

document.addEventListener("DOMContentLoaded", () => {
  countDown();
  toWhatIsWrong(document);
  setInterval(countDown, 15000);
});
// What was just written is told at the top of the page; it stays in sight for a while.
let told = 0;
document.addEventListener("htmx:oobAfterSwap", () => {
  const said = document.getElementById("said");
  if (!said || !said.querySelector(".notice")) return;
  said.classList.add("said-now");
  clearTimeout(told);
  told = setTimeout(() => said.classList.remove("said-now"), 12000);
});
document.addEventListener("htmx:afterSettle", (event) => {
  countDown();
  toWhatIsWrong(event.target);
});

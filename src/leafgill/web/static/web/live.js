// Looking closer at a chart: the picture gives way to one that answers the pointer. The library for
// it is large, so it comes only when it is asked for.
"use strict";

(() => {
  const libraries = new Map();

  function load(url) {
    if (!libraries.has(url)) {
      libraries.set(url, new Promise((done, failed) => {
        const script = document.createElement("script");
        // the bundle is a module that sets window.vegaEmbed
        script.type = "module";
        script.src = url;
        script.addEventListener("load", () => done());
        script.addEventListener("error", () => { libraries.delete(url); failed(new Error("no library")); });
        document.head.append(script);
      }));
    }
    return libraries.get(url);
  }

  function specOf(chart) {
    const theme = document.documentElement.dataset.theme;
    const dark = theme === "dark" || (theme !== "light" && matchMedia("(prefers-color-scheme: dark)").matches);
    const desk = matchMedia("(min-width: 60rem)").matches;
    return chart.dataset[(desk ? "desk" : "phone") + (dark ? "Dark" : "Light")];
  }

  async function closer(chart, button) {
    button.disabled = true;
    button.textContent = "Loading";
    try {
      const [answer] = await Promise.all([fetch(specOf(chart)), load(chart.dataset.library)]);
      if (!answer.ok) throw new Error(String(answer.status));
      const spec = await answer.json();
      const room = document.createElement("div");
      room.className = "chart-live";
      // without eval: the policy of these pages allows none
      await window.vegaEmbed(room, spec, {
        mode: "vega-lite", ast: true, actions: false, renderer: "svg",
        defaultStyle: false, tooltip: { disableDefaultStyle: true },
      });
      chart.querySelector("picture").replaceWith(room);
      button.remove();
    } catch (wrong) {
      button.disabled = false;
      button.textContent = "Look closer";
      console.warn("the chart could not be drawn", wrong);
    }
  }

  function begin(chart) {
    if (chart.dataset.liveReady) return;
    chart.dataset.liveReady = "yes";
    const button = document.createElement("button");
    button.type = "button";
    button.className = "button quiet chart-closer";
    button.textContent = "Look closer";
    button.addEventListener("click", () => closer(chart, button));
    chart.append(button);
  }

  function all() {
    for (const chart of document.querySelectorAll(".chart[data-live]")) begin(chart);
  }
  document.addEventListener("DOMContentLoaded", all);
  document.addEventListener("htmx:load", all);
})();

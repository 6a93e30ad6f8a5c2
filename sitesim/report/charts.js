"use strict";
(() => {
  const figures = [...document.querySelectorAll("figure[data-chart]")];
  const plots = figures.map((figure) => figure.querySelector(".plot"));
  const zooming = { displayModeBar: true, modeBarButtons: [["zoom2d", "pan2d", "zoomIn2d", "zoomOut2d", "resetScale2d"]] };
  figures.forEach((figure, place) => {
    const { data, layout } = JSON.parse(figure.querySelector("script").textContent);
    const more = "zoom" in figure.dataset ? zooming : { displayModeBar: false };
    Plotly.newPlot(plots[place], data, layout, { responsive: true, displaylogo: false, ...more });
    for (const button of figure.querySelectorAll("button[data-trace]")) {
      button.addEventListener("click", () => {
        const shown = button.getAttribute("aria-pressed") !== "true";
        button.setAttribute("aria-pressed", String(shown));
        Plotly.restyle(plots[place], { visible: shown }, [Number(button.dataset.trace)]);
      });
    }
  });
  addEventListener("beforeprint", () => plots.forEach((plot) => Plotly.relayout(plot, { autosize: false, width: 680 })));
  addEventListener("afterprint", () => plots.forEach((plot) => Plotly.relayout(plot, { autosize: true, width: null })));
})();

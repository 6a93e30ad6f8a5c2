"use strict";
(() => {
  const zooming = { displayModeBar: true, modeBarButtons: [["zoom2d", "pan2d", "zoomIn2d", "zoomOut2d", "resetScale2d"]] };
  const drawn = new Set();
  const draw = (figure) => {
    const plot = figure.querySelector(".plot");
    if (drawn.has(plot)) return;
    drawn.add(plot);
    const { data, layout } = JSON.parse(figure.querySelector("script").textContent);
    const more = "zoom" in figure.dataset ? zooming : { displayModeBar: false };
    Plotly.newPlot(plot, data, layout, { responsive: true, displaylogo: false, ...more });
    for (const button of figure.querySelectorAll("button[data-trace]")) {
      button.addEventListener("click", () => {
        const shown = button.getAttribute("aria-pressed") !== "true";
        button.setAttribute("aria-pressed", String(shown));
        const place = Number(button.dataset.trace);
        const named = (layout.annotations || []).flatMap((one, k) => (one.name === data[place].name ? [[`annotations[${k}].visible`, shown]] : []));
        Plotly.update(plot, { visible: shown }, Object.fromEntries(named), [place]);
      });
    }
  };
  const drawShown = (within) => within.querySelectorAll("figure[data-chart]").forEach((figure) => {
    if (!figure.closest("[hidden]")) draw(figure);
  });
  for (const choice of document.querySelectorAll("[data-choice]")) {
    const panels = [...choice.children].filter((child) => "panel" in child.dataset);
    const buttons = [...choice.querySelectorAll("button[data-shows]")];
    const show = (chosen) => {
      buttons.forEach((button, place) => button.setAttribute("aria-pressed", String(place === chosen)));
      panels.forEach((panel, place) => { panel.hidden = place !== chosen; });
    };
    buttons.forEach((button, place) => button.addEventListener("click", () => {
      show(place);
      drawShown(panels[place]);
    }));
    show(buttons.findIndex((button) => button.getAttribute("aria-pressed") === "true"));
  }
  const sizes = new ResizeObserver((changed) => changed.forEach(({ target }) => {
    const wide = target.closest(".wide");
    wide.toggleAttribute("data-scrolls", wide.scrollWidth > wide.clientWidth + 1);
  }));
  document.querySelectorAll(".wide, .wide > table").forEach((part) => sizes.observe(part));
  drawShown(document);
  addEventListener("beforeprint", () => drawn.forEach((plot) => Plotly.relayout(plot, { autosize: false, width: 680 })));
  addEventListener("afterprint", () => drawn.forEach((plot) => Plotly.relayout(plot, { autosize: true, width: null })));
})();

"use strict";
(function () {
  function read(id) {
    return JSON.parse(document.getElementById(id).textContent);
  }
  const plan = read("document");
  const roots = read("roots");
  if (window.matchMedia("(pointer: coarse)").matches) {
    // A finger on a figure scrolls the page; zooming is by the buttons.
    for (const root of plan.roots) {
      root.attributes.toolbar.attributes.active_drag = null;
    }
  }
  Bokeh.embed.embed_items({ report: plan }, [{ docid: "report", roots: roots, root_ids: Object.keys(roots) }]);
})();

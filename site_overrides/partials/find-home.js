(function () {
  "use strict";
  /**
   * Walks up from the missing address until a folder answers as the root of this site.
   * @param {string} folder Path of a folder, with a slash at its end.
   */
  function look(folder) {
    fetch(folder + "assets/edition.js", { method: "HEAD" }).then(function (answer) {
      var script = /javascript/.test(answer.headers.get("Content-Type") || "");
      if (answer.ok && script) found(folder);
      else if (folder !== "/") look(folder.replace(/[^/]*\/$/, ""));
    }, function () {});
  }

  /** @param {string} root */
  function found(root) {
    var style = document.createElement("link");
    style.rel = "stylesheet";
    style.href = root + "assets/css/kb.css";
    document.head.appendChild(style);
    document.querySelectorAll("a[data-to]").forEach(function (link) {
      link.setAttribute("href", root + link.getAttribute("data-to"));
    });
    document.getElementById("kb-ways").hidden = false;
  }

  if (location.protocol !== "file:") look(location.pathname.replace(/[^/]*$/, ""));
})();

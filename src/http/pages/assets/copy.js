"use strict";

// Gives each example a button that copies it. Without this script everything can be read and selected all the same.
(() => {
  const said = document.createElement("p");
  said.className = "said";
  said.setAttribute("role", "status");
  document.body.append(said);

  // Where a page does not come over TLS, browsers know only the older way.
  const copyOldWay = (text) => {
    const area = document.createElement("textarea");
    area.value = text;
    area.setAttribute("readonly", "");
    area.className = "away";
    document.body.append(area);
    area.select();
    const done = document.execCommand("copy");
    area.remove();
    return done;
  };

  const copy = async (text) => {
    if (navigator.clipboard) {
      try {
        await navigator.clipboard.writeText(text);
        return true;
      } catch {
        // Not permitted: the older way may be.
      }
    }
    return copyOldWay(text);
  };

  for (const example of document.querySelectorAll("figure.example")) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = "Copy";
    button.setAttribute("aria-label", `Copy ${example.getAttribute("aria-label").toLowerCase()}`);
    button.addEventListener("click", async () => {
      const done = await copy(example.querySelector("code").textContent);
      button.textContent = done ? "Copied" : "Not copied";
      said.textContent = done ? "Copied." : "This browser does not let pages copy: select the text.";
      button.focus();
      setTimeout(() => {
        button.textContent = "Copy";
        said.textContent = "";
      }, 2500);
    });
    example.prepend(button);
  }
})();

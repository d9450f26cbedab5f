// Asks again while figures are typed, and puts the new answer in the place of the old one.
// Without it every form still works: the button does the same.
"use strict";
(() => {
  const PAUSE_MS = 350;
  const told = document.getElementById("told");
  const here = () => location.pathname + location.search;
  // The address of the answer on show.
  let shown = here();

  const replace = (old, fresh) => {
    if (old && fresh) old.replaceChildren(...fresh.childNodes);
  };

  const show = (page, form) => {
    replace(document.getElementById("answer"), page.getElementById("answer"));
    replace(document.querySelector("header.top"), page.querySelector("header.top"));
    replace(document.querySelector(".who > summary"), page.querySelector(".who > summary"));
    const slips = `${form.id}-slips`;
    replace(document.getElementById(slips), page.getElementById(slips));
    for (const hint of form.querySelectorAll("[data-of]")) {
      const fresh = page.getElementById(hint.id);
      const box = document.getElementById(hint.dataset.of);
      replace(hint, fresh);
      if (box) {
        const wrong = Boolean(hint.querySelector(".slip"));
        if (wrong) box.setAttribute("aria-invalid", "true");
        else box.removeAttribute("aria-invalid");
      }
    }
    // The other forms of the page carry the same child.
    const unseen = (one) => [...one.querySelectorAll(":scope > input[type=hidden]")];
    for (const other of document.querySelectorAll("form[id]")) {
      const fresh = page.getElementById(other.id);
      if (other === form || !fresh) continue;
      for (const input of unseen(other)) input.remove();
      other.prepend(...unseen(fresh));
    }
    const headline = document.querySelector("#answer [data-headline]");
    if (headline && told) told.textContent = headline.dataset.headline || headline.textContent;
  };

  const keepFresh = (form) => {
    let timer = 0;
    let asking = null;
    // Whether what is typed has a place of its own in the browser's history: one for all that is typed until the button
    // is pressed, so that one step back shows the answer before.
    let hasPlace = false;
    const hush = () => {
      clearTimeout(timer);
      if (asking) asking.abort();
    };
    const address = () => {
      const query = new URLSearchParams(new FormData(form));
      query.delete("keep-as");
      query.delete("replace");
      return `${form.getAttribute("action").split("#")[0]}?${query}`;
    };
    const ask = async () => {
      hush();
      asking = new AbortController();
      try {
        const answer = await fetch(address(), { signal: asking.signal });
        const page = new DOMParser().parseFromString(await answer.text(), "text/html");
        show(page, form);
        if (hasPlace) history.replaceState(null, "", answer.url);
        else history.pushState(null, "", answer.url);
        hasPlace = true;
        shown = here();
      } catch (error) {
        if (error.name !== "AbortError" && told) told.textContent = "The page does not answer.";
      }
    };
    form.addEventListener("submit", (event) => {
      hush();
      // What is to be kept is sent by its own button.
      if (!hasPlace || event.submitter?.hasAttribute("formaction")) return;
      event.preventDefault();
      location.replace(`${address()}#answer`);
    });
    document.addEventListener("input", (event) => {
      // Boxes may stand elsewhere on the page than their form.
      if (event.target.form !== form) return;
      // Feet, inches and fractions take the full keyboard.
      if (event.target.name === "units") {
        const keys = event.target.value === "in" ? "text" : "decimal";
        for (const box of form.querySelectorAll("[data-figure]")) box.inputMode = keys;
      }
      if (event.target.name === "keep-as" || event.target.name === "replace") return;
      // Another child has other boxes.
      if (event.target.name === "rider") {
        hasPlace = false;
        form.requestSubmit();
        return;
      }
      clearTimeout(timer);
      timer = setTimeout(ask, PAUSE_MS);
    });
  };

  // A page out of the history shows what its address asks, and not what was typed on it last.
  addEventListener("popstate", () => {
    if (here() !== shown) location.reload();
  });
  addEventListener("pageshow", (event) => {
    if (event.persisted) location.reload();
  });

  // A browser that cannot open what is folded by the style alone.
  let folded = [];
  addEventListener("beforeprint", () => {
    folded = [...document.querySelectorAll("details:not([open], .noprint)")];
    for (const one of folded) one.open = true;
  });
  addEventListener("afterprint", () => {
    for (const one of folded) one.open = false;
  });

  for (const form of document.querySelectorAll("form#child, form#bike")) keepFresh(form);
})();

// Asks again while figures are typed, and puts the new answer in the place of the old one.
// Without it every form still works: the button does the same.
"use strict";
(() => {
  const PAUSE_MS = 350;
  const told = document.getElementById("told");

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
    const ask = async () => {
      if (asking) asking.abort();
      asking = new AbortController();
      const query = new URLSearchParams(new FormData(form));
      query.delete("keep-as");
      query.delete("replace");
      const address = `${form.getAttribute("action").split("#")[0]}?${query}`;
      try {
        const answer = await fetch(address, { signal: asking.signal });
        const page = new DOMParser().parseFromString(await answer.text(), "text/html");
        show(page, form);
        history.replaceState(null, "", answer.url);
      } catch (error) {
        if (error.name !== "AbortError" && told) told.textContent = "The page does not answer.";
      }
    };
    form.addEventListener("input", (event) => {
      // Feet, inches and fractions take the full keyboard.
      if (event.target.name === "units") {
        const keys = event.target.value === "in" ? "text" : "decimal";
        for (const box of form.querySelectorAll("[data-figure]")) box.inputMode = keys;
      }
      if (event.target.name === "keep-as" || event.target.name === "replace") return;
      // Another child has other boxes.
      if (event.target.name === "rider") {
        form.requestSubmit();
        return;
      }
      clearTimeout(timer);
      timer = setTimeout(ask, PAUSE_MS);
    });
  };

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

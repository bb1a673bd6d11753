/* Says that a form is being worked on, and keeps it from being sent twice, where the answer may take some seconds.
   Without script the browser's own sign of waiting serves. */
"use strict";
(() => {
  const begin = (form) => {
    const told = document.createElement("p");
    const bar = document.createElement("progress");
    bar.setAttribute("aria-label", form.dataset.sending);
    told.className = "sending";
    told.setAttribute("role", "status");
    told.append(bar, ` ${form.dataset.sending} …`);
    form.append(told);
    form.dataset.sent = "";
  };
  const end = (form) => {
    form.querySelectorAll(".sending").forEach((told) => told.remove());
    delete form.dataset.sent;
  };

  document.querySelectorAll("form[data-sending]").forEach((form) => {
    form.addEventListener("submit", (event) => {
      if ("sent" in form.dataset) event.preventDefault();
      else begin(form);
    });
    // Who comes back by the browser's own "back" finds the form as it was, ready to be sent.
    window.addEventListener("pageshow", () => end(form));
  });
})();

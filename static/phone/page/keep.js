/*
 * What is typed on the way to a job is kept field by field, so that a reload or another app's turn loses nothing. Only
 * what is right can be kept; what is wrong the form's own button tells.
 */

document.addEventListener("change", ({ target }) => {
  const { form } = target;
  // Another model has other questions: that is decided with the button beside it.
  if (!form?.matches("[data-keep]") || target.name === "vehicle") return;
  const body = new FormData(form);
  body.set("go", "keep");
  fetch(form.action, { method: "POST", body, redirect: "manual", keepalive: true }).catch(() => undefined);
});

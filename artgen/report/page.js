"use strict";
// filters and highlighting; without them the page shows everything
const form = document.querySelector(".filters");
const findings = [...document.querySelectorAll(".finding")];
const panels = [...document.querySelectorAll(".panel")];
const status = form.querySelector("[role=status]");
const marksOf = (number) => document.querySelectorAll(`.mark[data-number="${number}"]`);

function filter() {
  const asked = new FormData(form);
  const severities = asked.getAll("severity");
  const all = severities.length === form.querySelectorAll("[name=severity]").length;
  const one = (name, value) => !asked.get(name) || asked.get(name) === value;
  let shown = 0;
  for (const finding of findings) {
    const { severity, audience, family } = finding.dataset;
    const fits = severities.includes(severity) && one("audience", audience) && one("family", family);
    finding.hidden = !fits;
    for (const mark of marksOf(finding.id.slice(1))) mark.toggleAttribute("hidden", !fits);
    if (fits && one("panel", finding.closest(".panel").dataset.panel)) shown += 1;
  }
  const narrow = !all || asked.get("audience") || asked.get("family");
  for (const panel of panels) {
    const empty = !panel.querySelector(".finding:not([hidden])");
    panel.hidden = !one("panel", panel.dataset.panel) || Boolean(narrow && empty && !asked.get("panel"));
  }
  status.textContent = status.dataset.text.replace("{shown}", shown);
}

function light(number, on) {
  document.getElementById("f" + number).classList.toggle("lit", on);
  for (const mark of marksOf(number)) mark.classList.toggle("lit", on);
}

for (const [selector, number] of [[".finding", (one) => one.id.slice(1)], [".mark[data-number]", (one) => one.dataset.number]]) {
  for (const one of document.querySelectorAll(selector)) {
    for (const [event, on] of [["mouseenter", true], ["mouseleave", false], ["focusin", true], ["focusout", false]]) {
      one.addEventListener(event, () => light(number(one), on));
    }
  }
}

// up and down go from number to number, only while a number has the focus
document.addEventListener("keydown", (event) => {
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (!step || !event.target.matches("a.no") || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
  const numbers = [...document.querySelectorAll("a.no")].filter((one) => one.offsetParent !== null);
  const next = numbers[numbers.indexOf(event.target) + step];
  if (next) next.focus();
  event.preventDefault();
});

form.addEventListener("change", filter);
form.addEventListener("reset", () => setTimeout(filter));
form.addEventListener("submit", (event) => event.preventDefault());
form.hidden = false;
filter();

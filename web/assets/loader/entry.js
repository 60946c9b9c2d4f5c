// Enter in an entry of one line is told to the program as an event of its own. What types
// faster than a person is a laser: where it types Tab or Enter between two numbers of one
// press, a semicolon stands between them, and the program hears of both at once.
const byHand = 60; // milliseconds from key to key that a person takes at least
const over = 150; // milliseconds after which a laser has typed all

let last = 0; // when the last key came
let ends = 0; // a timer: the laser may have ended

export function tellEnter() {
  // What is typed is not kept until the program says so, also where it is gone.
  document.addEventListener("input", (event) => {
    if (event.target.matches("[data-entry]")) document.documentElement.dataset.unsaved = "typed";
  }, true);
  document.addEventListener("keydown", (event) => {
    const entry = event.target;
    if (event.key === "Enter" && !event.isComposing && entry.matches(".rate input")) { // rates are typed one after the other
      const all = [...entry.closest("details").querySelectorAll(".rate input")];
      const next = all[all.indexOf(entry) + 1];
      if (next) next.focus();
      else entry.blur();
      return;
    }
    if (event.isComposing || !entry.matches("input[data-entry]")) return;
    const laser = event.timeStamp - last < byHand;
    last = event.timeStamp;
    const entered = () => ((ends = 0), entry.dispatchEvent(new Event("entered")));
    if (laser && entry.inputMode === "none" && (event.key === "Enter" || event.key === "Tab")) {
      event.preventDefault();
      clearTimeout(ends);
      ends = setTimeout(entered, over);
    } else if (event.key === "Enter") {
      event.preventDefault();
      entered();
    } else if (ends !== 0) {
      clearTimeout(ends);
      ends = 0;
      if (event.key.length === 1) entry.setRangeText(";", entry.value.length, entry.value.length, "end");
    }
  });
}

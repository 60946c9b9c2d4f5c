// Enter in an entry of one line is told to the program as an event of its own.
export function tellEnter() {
  // What is typed is not kept until the program says so, also where it is gone.
  document.addEventListener("input", (event) => {
    if (event.target.matches("[data-entry]")) document.documentElement.dataset.unsaved = "typed";
  }, true);
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.isComposing) return;
    if (event.target.matches(".rate input")) { // rates are typed one after the other
      const all = [...event.target.closest("details").querySelectorAll(".rate input")];
      const next = all[all.indexOf(event.target) + 1];
      if (next) next.focus();
      else event.target.blur();
      return;
    }
    if (!event.target.matches("input[data-entry]")) return;
    event.preventDefault();
    event.target.dispatchEvent(new Event("entered"));
  });
}

// Enter in an entry of one line is told to the program as an event of its own.
export function tellEnter() {
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.isComposing || !event.target.matches("input[data-entry]")) return;
    event.preventDefault();
    event.target.dispatchEvent(new Event("entered"));
  });
}

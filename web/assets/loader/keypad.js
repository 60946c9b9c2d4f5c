// A key of the keypad types when it is pressed, as a key of any keyboard does,
// and not when it is let go. Where a finger on it may be about to scroll, and for
// the keys that go on and back, the click counts.
let pressedKey = null;

export function typeWhenPressed() {
  document.addEventListener("pointerdown", (event) => {
    pressedKey = null;
    const key = event.target.closest("[data-types]");
    if (!key || event.button !== 0 || scrolls(document.documentElement) || scrolls(key.closest(".content"))) return;
    key.click();
    pressedKey = key;
  });
  document.addEventListener("mousedown", (event) => {
    if (pressedKey !== null) event.preventDefault(); // the cursor stays in the entry
  });
  document.addEventListener("click", passOverTyped, true);
}

// passOverTyped stops the click that the browser makes of a press.
function passOverTyped(event) {
  // The click of a keyboard or a screen reader has no press before it.
  if (!event.isTrusted || event.detail === 0 || pressedKey === null) return;
  if (event.target.closest("[data-types]") === pressedKey) event.stopImmediatePropagation();
  pressedKey = null;
}

function scrolls(part) {
  return part !== null && part.scrollHeight > part.clientHeight + 1;
}

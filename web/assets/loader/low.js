// A page that is pulled down at its top comes down by a third of the screen, so that its
// bars and first rows are under the thumb; it goes back when it is scrolled up or left.
// See pegpour.css.
const far = 56; // CSS pixels that a finger pulls

const root = document.documentElement;
let from = null; // where the finger came down, null where it pulls nothing

export function comeDown() {
  document.addEventListener("touchstart", (event) => {
    from = event.touches.length === 1 && pulls(event.target) ? event.touches[0] : null;
  }, { passive: true });
  document.addEventListener("touchmove", (event) => {
    if (from === null) return;
    const to = event.touches[0];
    if (event.touches.length > 1 || event.defaultPrevented || to.clientY < from.clientY) from = null;
    else if (to.clientY - from.clientY > far + Math.abs(to.clientX - from.clientX)) {
      from = null;
      root.dataset.low = "";
    }
  }, { passive: true });
  addEventListener("scroll", () => {
    const by = document.querySelector(".screen")?.offsetTop || 0;
    if (!("low" in root.dataset) || by === 0 || scrollY < by) return;
    const to = scrollY - by; // before the browser moves it by itself
    goUp();
    scrollTo({ top: to, behavior: "instant" });
  }, { passive: true });
  addEventListener("popstate", goUp);
}

// goUp has the page begin at the top of the screen again.
export function goUp() {
  delete root.dataset.low;
}

// pulls reports whether a finger that comes down on something and moves down pulls the
// page: nothing scrolls or is drawn there, and no key is typed.
function pulls(on) {
  if (scrollY > 0 || on.closest("[data-types], [data-enlarged], select, input[type=range]")) return false;
  for (let e = on; e instanceof Element; e = e.parentElement) {
    if (e.scrollTop > 0 || getComputedStyle(e).touchAction === "none") return false;
  }
  return true;
}

// A drawing is enlarged by two fingers and moved by one, or enlarged where it was tapped
// twice. The picture follows the fingers; once they are off the program draws it anew,
// told by the event "zoomed": where in the picture (parts of its width and height) the
// fingers began and ended, by how much it grew, and whether it was tapped twice, which
// shows an enlarged drawing whole again.
const soon = 300; // milliseconds between two taps
const near = 30; // CSS pixels between them
const tapGrows = 2.5;

export function zooms(paper) {
  let began = null; // of the gesture: {one, at, apart}
  let now = null;
  let tapped = null;

  const middle = (touches) => {
    const [a, b = a] = touches;
    return { x: (a.clientX + b.clientX) / 2, y: (a.clientY + b.clientY) / 2, apart: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY) };
  };
  const tell = (from, to, by, twice = false) => {
    const picture = paper.querySelector("svg");
    if (!picture) return;
    picture.style.transform = "";
    const { left, top, width, height } = picture.getBoundingClientRect();
    const part = (p) => ({ x: (p.x - left) / width, y: (p.y - top) / height });
    paper.dispatchEvent(new CustomEvent("zoomed", { detail: { from: part(from), to: part(to), by, twice } }));
  };
  const begin = (event) => {
    began = null;
    if (event.touches.length === 2 || (event.touches.length === 1 && "enlarged" in paper.dataset)) {
      began = now = middle(event.touches);
      began.fingers = event.touches.length;
    }
  };
  const follow = (event) => {
    if (!began || event.touches.length !== began.fingers) return;
    event.preventDefault(); // the page neither scrolls nor grows
    now = middle(event.touches);
    const picture = paper.querySelector("svg");
    const { left, top } = paper.getBoundingClientRect();
    const by = growth();
    picture.style.transformOrigin = "0 0";
    picture.style.transform = `translate(${now.x - left - by * (began.x - left)}px, ${now.y - top - by * (began.y - top)}px) scale(${by})`;
  };
  const growth = () => (began.fingers === 2 && began.apart > 0 ? now.apart / began.apart : 1);
  const end = (event) => {
    if (began && (now.x !== began.x || now.y !== began.y || now.apart !== began.apart)) {
      tell(began, now, growth());
      tapped = null;
    } else if (event.changedTouches.length === 1 && event.touches.length === 0) {
      const at = middle(event.changedTouches);
      if (tapped && event.timeStamp - tapped.when < soon && Math.hypot(at.x - tapped.x, at.y - tapped.y) < near) {
        event.preventDefault(); // no click of the second tap, and no growing of the page
        tapped = null;
        tell(at, at, tapGrows, true);
      } else {
        tapped = { ...at, when: event.timeStamp };
      }
    }
    began = null;
  };
  paper.addEventListener("touchstart", begin, { passive: true });
  paper.addEventListener("touchmove", follow, { passive: false });
  paper.addEventListener("touchend", end);
  paper.addEventListener("touchcancel", () => {
    if (began) paper.querySelector("svg").style.transform = "";
    began = null;
  });
  // A trackpad's two fingers arrive as a wheel with the control key.
  const mouse = (event, ...how) => {
    event.preventDefault();
    const at = { x: event.clientX, y: event.clientY };
    tell(at, at, ...how);
  };
  paper.addEventListener("wheel", (event) => event.ctrlKey && mouse(event, Math.exp(-event.deltaY / 100)), { passive: false });
  paper.addEventListener("dblclick", (event) => mouse(event, tapGrows, true));
}

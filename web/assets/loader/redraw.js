// A key's drawing has the elements of the one before it, most of the time. Changing what
// differs takes half as long as making all of them anew.
const elements = new WeakMap(); // of a picture, in the order of the document

// redraw makes the changes in a picture that engine/draw's Changes found.
export function redraw(picture, changes) {
  let all = elements.get(picture);
  if (!all || !all[0] || all[0].parentNode !== picture) {
    elements.set(picture, (all = [...picture.querySelectorAll("*")])); // it was made anew
  }
  const words = changes.split("\x1f");
  for (let i = 0; i + 2 < words.length; i += 3) {
    const element = all[words[i]];
    if (words[i + 1] === "") element.firstChild.data = words[i + 2];
    else element.setAttribute(words[i + 1], words[i + 2]);
  }
}

// The list of sites as it was last. Until the program runs the page shows the
// list as it stood there last, with no more of it than the first screens. What is
// tapped meanwhile is tapped again in the program's own list, once that is there.
import { hideNotice } from "./notice.js";
import { shell } from "./shell.js";

const listKey = "pegpour-list"; // of localStorage
const listed = 8; // sites, as many as the program shows first
const notKept = `.update-notice, .bar, .tallies, .list-rest, .site:nth-child(n + ${listed + 1})`;
const root = document.documentElement;

let wanted = ""; // the part tapped last: see partOf

export function keepList() {
  const screen = document.querySelector(".screen-sites:not(.kept-list)");
  if (!screen || document.querySelector(".kept-list")) return;
  const copy = screen.cloneNode(true);
  for (const part of copy.querySelectorAll(notKept)) part.remove();
  copy.querySelector("[data-list]").removeAttribute("data-list");
  for (const input of copy.querySelectorAll("input")) input.disabled = true;
  const kept = { version: shell.version, html: copy.innerHTML, root: {} };
  for (const name of ["lang", "dir", "data-theme", "data-thumb"]) kept.root[name] = root.getAttribute(name) || "";
  const text = JSON.stringify(kept);
  try {
    if (localStorage.getItem(listKey) !== text) localStorage.setItem(listKey, text);
  } catch {} // no room: the next start shows none
}

export function forgetList() {
  try {
    localStorage.removeItem(listKey);
  } catch {}
}

export function showKeptList() {
  if (location.pathname !== "/") return;
  const kept = readKept();
  if (!kept || kept.version !== shell.version || typeof kept.html !== "string") return;
  for (const [name, value] of Object.entries(kept.root || {})) if (value) root.setAttribute(name, value);
  const list = document.createElement("div");
  list.className = "screen screen-sites kept-list";
  list.setAttribute("aria-busy", "true");
  list.innerHTML = kept.html;
  list.addEventListener("click", (event) => {
    const part = event.target.closest("a, button");
    if (!part) return;
    event.preventDefault();
    event.stopPropagation(); // a program that runs and still reads would go there, under this list
    for (const other of list.querySelectorAll(".wanted")) other.classList.remove("wanted");
    part.classList.add("wanted");
    wanted = partOf(part);
  });
  hideNotice();
  document.body.append(list);
  root.dataset.keptList = "";
  giveWayToProgram();
}

export function hideKeptList() {
  const list = document.querySelector(".kept-list");
  if (list) list.remove();
  delete root.dataset.keptList;
}

function readKept() {
  try {
    return JSON.parse(localStorage.getItem(listKey));
  } catch {
    return null;
  }
}

// giveWayToProgram waits for the program's own list, and taps there what was
// tapped here. A program that went to another screen by then needs no list.
function giveWayToProgram() {
  const observer = new MutationObserver(() => {
    const gone = location.pathname !== "/";
    if (!gone && !document.querySelector("[data-list=here]")) return;
    observer.disconnect();
    hideKeptList();
    for (const part of wanted && !gone ? document.querySelectorAll(".screen-sites a, .screen-sites button") : [])
      if (partOf(part) === wanted) return part.click();
  });
  const changes = { childList: true, subtree: true, attributes: true, attributeFilter: ["data-list"] };
  observer.observe(document.body, changes);
}

// partOf names a link or button of the list, the same in every copy of it.
function partOf(part) {
  const site = part.closest(".site");
  const link = site && site.querySelector("a");
  const address = (of) => (of && of.getAttribute("href")) || "";
  return [part.localName, part.dataset.do || "", address(part), address(link)].join(" ");
}

// Reminders: what is due is shown over any screen while a page is open, with no signal,
// and told by the phone where the person lets it. They are kept on this device only.
const remindersKey = "pegpour-reminders"; // of localStorage
const lookEvery = 15000; // ms; a timer of weeks would not hold

// remind keeps a reminder for a time (ms), or forgets the one of the name where that is
// 0. words are what it says, seen the button that ends it, address where it leads.
export function remind(name, at, words, seen, address) {
  const all = keptReminders().filter((r) => r.name !== name);
  if (at > 0) {
    all.push({ name, at, words, seen, address });
    if (self.Notification && Notification.permission === "default") Notification.requestPermission();
  }
  keepReminders(all);
  const shown = document.querySelector(`.reminder[data-name="${CSS.escape(name)}"]`);
  if (shown) shown.remove();
  showDue();
}

// remindsAt is the time of a reminder, ms; 0 where there is none.
export function remindsAt(name) {
  const found = keptReminders().find((r) => r.name === name);
  return found ? found.at : 0;
}

export function watchReminders() {
  setInterval(showDue, lookEvery);
  document.addEventListener("visibilitychange", showDue);
  showDue();
}

function showDue() {
  if (document.querySelector(".reminder")) return; // one after another
  const r = keptReminders().find((one) => one.at <= Date.now());
  if (r) show(r);
}

function show(r) {
  const bar = document.createElement("aside");
  bar.className = "bar bar-fixed reminder";
  bar.dataset.name = r.name;
  bar.setAttribute("role", "alert");
  const link = document.createElement("a");
  link.href = r.address;
  link.textContent = r.words;
  const seen = document.createElement("button");
  seen.type = "button";
  seen.textContent = r.seen;
  seen.addEventListener("click", () => remind(r.name, 0));
  bar.append(link, seen);
  document.body.append(bar);
  tellByPhone(r);
}

function tellByPhone(r) {
  if (r.told || !self.Notification || Notification.permission !== "granted" || !navigator.serviceWorker) return;
  keepReminders(keptReminders().map((other) => (other.name === r.name ? { ...other, told: true } : other)));
  navigator.serviceWorker.ready.then((held) => held.showNotification("Pegpour", { body: r.words, tag: r.name }))
    .catch(() => {});
}

function keptReminders() {
  try {
    const all = JSON.parse(localStorage.getItem(remindersKey));
    return Array.isArray(all) ? all : [];
  } catch {
    return []; // a browser that keeps nothing, or what another program wrote
  }
}

function keepReminders(all) {
  try {
    localStorage.setItem(remindersKey, JSON.stringify(all));
  } catch {} // no room: the calendar of the phone is left
}

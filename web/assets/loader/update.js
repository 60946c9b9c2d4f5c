// applyUpdate changes over to the newest version and reloads this page, once.
// The program has saved the edit in progress before it calls this.
export async function applyUpdate() {
  let reloading = false;
  const reload = () => {
    if (reloading) return;
    reloading = true;
    location.reload();
  };
  const workers = navigator.serviceWorker;
  const registration = workers && (await workers.getRegistration());
  const waiting = registration && registration.waiting;
  if (!waiting) {
    reload();
    return;
  }
  workers.addEventListener("controllerchange", reload);
  waiting.addEventListener("statechange", () => waiting.state === "activated" && reload());
  waiting.postMessage({ type: "activate" });
}

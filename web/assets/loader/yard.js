// One page of this device speaks to the yard: run is called in the page that
// gets the lock, which it keeps as long as it lives; then another one gets it.
export function holdYard(run) {
  if (!navigator.locks) {
    run();
    return;
  }
  navigator.locks.request("pegpour-yard", () => {
    run();
    return new Promise(() => {});
  });
}

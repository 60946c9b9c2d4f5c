// A site's file that the system opens with Pegpour, or that another app shares with it,
// goes where one would choose it: to the list's button for a saved survey.
const shared = "/opened"; // where worker.js keeps what was shared

export function takeOpened() {
  if (window.launchQueue)
    launchQueue.setConsumer(async ({ files }) => {
      if (files && files.length) give(await files[0].getFile());
    });
  if (new URLSearchParams(location.search).has("shared")) takeShared().catch(() => {});
}

async function takeShared() {
  const cache = await caches.open(shared);
  const kept = await cache.match(shared);
  if (!kept) return;
  await give(new File([await kept.blob()], "shared.json"));
  await cache.delete(shared);
  history.replaceState(history.state, "", "/"); // else the next start would look again
}

// give chooses the file in the list, once that is there.
function give(file) {
  const files = new DataTransfer();
  files.items.add(file);
  return new Promise((given) => {
    const look = () => {
      const input = document.querySelector("[data-list=here] input[data-do=open-file]");
      if (!input) return;
      observer.disconnect();
      input.files = files.files;
      input.dispatchEvent(new Event("change", { bubbles: true }));
      given();
    };
    const observer = new MutationObserver(look);
    observer.observe(document.body, { childList: true, subtree: true, attributes: true, attributeFilter: ["data-list"] });
    look();
  });
}

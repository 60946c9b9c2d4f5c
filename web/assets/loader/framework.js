// The functions of the page that go-app looks for, and the browser's offer to
// install, kept until the person asks for it.
let installOffer = null;

export function answerFramework() {
  // The program puts its own in the place of these three.
  window.goappNav = () => {};
  window.goappOnUpdate = () => {};
  window.goappOnAppInstallChange = () => {};

  window.goappGetenv = () => "";
  window.goappIsAppInstalled = isInstalled;
  window.goappIsAppInstallable = () => !isInstalled() && installOffer !== null;
  window.goappShowInstallPrompt = showInstallPrompt;

  window.addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    offer(event);
  });
  window.addEventListener("appinstalled", () => offer(null));
}

// tellUpdate has the program look anew at what the page knows.
export function tellUpdate() {
  window.goappOnUpdate();
}

function offer(event) {
  installOffer = event;
  window.goappOnAppInstallChange();
}

function isInstalled() {
  return window.matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;
}

async function showInstallPrompt() {
  const offered = installOffer;
  installOffer = null;
  await offered.prompt();
  await offered.userChoice;
  window.goappOnAppInstallChange();
}

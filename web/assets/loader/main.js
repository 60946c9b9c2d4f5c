// Loads and starts the program, and looks after its service worker. The build
// joins the files of this folder into one script, loader.js.
import { answerFramework } from "./framework.js";
import { tellEnter } from "./entry.js";
import { zooms } from "./fingers.js";
import { typeWhenPressed } from "./keypad.js";
import { chosenLanguage, listenToWords, speak } from "./language.js";
import { forgetList, keepList, showKeptList } from "./keptlist.js";
import { comeDown } from "./low.js";
import { takeOpened } from "./opened.js";
import { elsewhere, start } from "./program.js";
import { redraw } from "./redraw.js";
import { remind, remindsAt, watchReminders } from "./remind.js";
import { shell } from "./shell.js";
import { beginAtTheTop } from "./top.js";
import { holdTyping } from "./typing.js";
import { applyUpdate } from "./update.js";
import { holdVersion, registerWorker } from "./versions.js";
import { listenForNumbers } from "./voice.js";
import { holdYard } from "./yard.js";

answerFramework();
tellEnter();
typeWhenPressed();
holdTyping();
beginAtTheTop();
comeDown();

Object.assign(shell, { applyUpdate, elsewhere, holdYard, speak, keepList, forgetList, remind, remindsAt, redraw, zooms });
shell.chosen = chosenLanguage();
shell.words = listenToWords(shell.chosen);
window.pegpourShell = shell;

showKeptList();
holdVersion();
watchReminders();
takeOpened();
start().finally(() => {
  registerWorker();
  (window.requestIdleCallback || setTimeout)(listenForNumbers); // to ask what is understood takes a while
});

// The worker in which documents are made. The app starts it when the first one
// is asked for and sends {id, order}; it answers {id, pdf} or {id, error}. Its
// files are kept with the rest of the version, so that it works without signal.
"use strict";

importScripts("{{asset "wasm_exec.js"}}");

const started = start();

async function start() {
  const go = new Go();
  const response = await fetch("{{asset "papers.wasm"}}");
  const { instance } = await WebAssembly.instantiate(await response.arrayBuffer(), go.importObject);
  go.run(instance); // runs until it waits for the first order
}

self.onmessage = async (event) => {
  const { id, order } = event.data;
  try {
    await started;
    const answer = self.pegpourPrint(order);
    if (answer.error) postMessage({ id, error: answer.error });
    else postMessage({ id, pdf: answer.pdf }, [answer.pdf.buffer]);
  } catch (err) {
    postMessage({ id, error: String(err) });
  }
};

// The worker that reads the codes in a camera's pictures. The app starts it when somebody
// takes from another phone, and sends {picture}, an ImageBitmap. It answers {codes}, the
// bytes of each code that it found, or {error}. Its files are kept with the rest of the
// version, so that it works without signal.
"use strict";

importScripts("{{asset "zxing.js"}}");

const ready = start();
let canvas = null;
let missed = 0; // pictures since the last code

async function start() {
  const response = await fetch("{{asset "zxing.wasm"}}");
  if (!response.ok) throw new Error(`the reader: status ${response.status}`);
  const wasmBinary = await response.arrayBuffer();
  await ZXingWASM.prepareZXingModule({ overrides: { wasmBinary }, fireImmediately: true });
}

self.onmessage = async (event) => {
  try {
    await ready;
    const found = await ZXingWASM.readBarcodes(pixels(event.data.picture), {
      formats: ["QRCode"], maxNumberOfSymbols: 3, tryRotate: false, tryInvert: false, textMode: "Hex",
      tryHarder: thorough(), tryDownscale: thorough(), // what takes twice as long
    });
    const codes = found.filter((code) => code.isValid).map((code) => code.bytes.slice());
    missed = codes.length ? 0 : missed + 1;
    postMessage({ codes }, codes.map((bytes) => bytes.buffer));
  } catch (err) {
    postMessage({ error: String(err) });
  }
};

// thorough tells whether this picture is worth more time: one in four while none is read.
function thorough() {
  return missed % 4 === 3;
}

function pixels(picture) {
  const { width, height } = picture;
  if (!canvas || canvas.width !== width || canvas.height !== height) canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext("2d", { willReadFrequently: true });
  context.drawImage(picture, 0, 0);
  picture.close();
  return context.getImageData(0, 0, width, height);
}

// Makes the next version of a program from the one that is kept and what changed: the
// same as Apply in web/delta, whose doc.go tells the format. The build puts this file
// before the worker.

// applyDelta returns a program of a size; wait is called between pieces of the work, which
// goes on when what it returns is done. It throws where the delta is none of this program.
async function applyDelta(old, delta, size, wait) {
  const broken = () => new Error("the delta does not belong to this program");
  const row = (bytes) => ({ bytes, at: 0 });
  const number = (r) => {
    let n = 0;
    for (let scale = 1; ; scale *= 128) {
      if (r.at >= r.bytes.length || scale > 2 ** 42) throw broken();
      const b = r.bytes[r.at++];
      n += (b & 127) * scale;
      if (b < 128) return n;
    }
  };
  const take = (r, n) => {
    if (n > r.bytes.length - r.at) throw broken();
    r.at += n;
    return r.bytes.subarray(r.at - n, r.at);
  };
  const rest = row(delta);
  const next = () => row(take(rest, number(rest)));
  const stretches = next(), alike = next(), other = next(), residuals = next();

  const unseen = (n) => new Int16Array(n).fill(-1);
  const near = unseen(1 << 22), wide = unseen(1 << 21), far = unseen(1 << 16);
  const out = new Uint8Array(size);
  const piece = 1 << 18; // bytes made in one go, some milliseconds of work
  let same = 0, unalike = 0; // bytes in hand
  let at = 0, to = 0;
  while (stretches.at < stretches.bytes.length) {
    const jump = number(stretches);
    at += jump % 2 ? -(jump + 1) / 2 : jump / 2;
    const length = number(stretches), fresh = number(stretches);
    if (at < 0 || length > old.length - at || length + fresh > size - to) throw broken();
    for (const end = at + length; at < end; ) {
      await wait();
      for (const stop = Math.min(end, at + piece); at < stop; at++, to++) {
        while (same === 0 && unalike === 0) {
          if (alike.at === alike.bytes.length) same = Infinity;
          else (same = number(alike)), (unalike = number(other));
        }
        const before = at > 0 ? old[at - 1] : 0;
        const after = at + 1 < old.length ? old[at + 1] : 0, last = at + 2 < old.length ? old[at + 2] : 0;
        const n = Math.imul(before | (old[at] << 8) | (after << 16) | (last << 24), 0x9e3779b1) >>> 10;
        const w = before | ((after >> 3) << 8) | (last << 13), f = before | (last << 8);
        let change = near[n];
        if (change < 0) change = wide[w];
        if (change < 0) change = far[f];
        if (change < 0) change = 0;
        if (same > 0) same--;
        else {
          unalike--;
          if (residuals.at === residuals.bytes.length) throw broken();
          change = (change + residuals.bytes[residuals.at++]) & 255;
        }
        near[n] = wide[w] = far[f] = change;
        out[to] = old[at] + change;
      }
    }
    out.set(take(rest, fresh), to);
    to += fresh;
  }
  if (to !== size) throw broken();
  return out;
}

package yard

// layout7: the step of a site by what was recorded, in its row, and the turn of the site
// that it was told for. A server of before writes turn and not these, so that a row of
// which they differ is one whose step is not known: it says so by itself, and is told
// again. Nothing is filled here, as a step of the layout uses nothing of today's program.
//
// The first index lists by step. PostgreSQL takes two columns that are equal for a rare
// thing, which here they nearly always are, and would rather sort than follow an index: so
// that they are is said as BETWEEN. The second lists what is not known, and finds what is to
// be told; it is all but empty nearly always.
const layout7 = `
ALTER TABLE sites ADD COLUMN far INTEGER NOT NULL DEFAULT 0;
ALTER TABLE sites ADD COLUMN far_turn INTEGER NOT NULL DEFAULT 0;
CREATE INDEX sites_far ON sites (far, turn) WHERE turn > 0 AND far_turn BETWEEN turn AND turn;
CREATE INDEX sites_untold ON sites (turn) WHERE turn > 0 AND (far_turn <> turn OR far < 0)`

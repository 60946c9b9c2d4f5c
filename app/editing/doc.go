// Package editing is the site being edited and what stands under it: the store of
// this device with the rules of the shop (Device), the queue of calls of the store
// (Saver), and the site in hand with its design, the walk through its questions and
// what is typed (Site). It shows nothing: screens ask it.
//
// Decision: what cannot be read is kept as a draft beside the value. The value's
// old reading no longer holds, so the engine is asked without it and the drawing
// shows the assumed one. Nothing typed is lost by a closed browser. It would change
// if drafts had to merge between phones in the middle of a word.
//
// Decision: one edit for each keystroke, joined for undo. Each keystroke is a
// stored edit with strict durability; edits of one run of typing are undone in one
// step. The document after the edit is made without the edit, 300 times as fast
// (storage.WithValue), so that the drawing waits for neither.
// The edit itself is made from the value alone, and its transaction asks for the head
// alone, as what it rests on is what the last edit left. A mark beside the value says
// "kept" only once the browser says that the disk has it: the root of the page counts
// what waits, in the turn of the key.
//
// Decision: a key waits for outlines, not for figures. Outlines is what a drawing
// needs and Plan the whole; engine.Begin does a seventh of the work of a design on
// falling ground, and the rest is done when somebody asks for it. A test holds that
// a drawing asks for no more.
//
// Decision: a failing call holds up its site only. What may succeed later is made
// again after a wait that grows; meanwhile the edits that wait are written to a
// Journal outside the store, and stored at the next start. What never can succeed
// (storage.Final) is kept as an Aside in the store, said with ways out, and the site is
// read anew. It would change if calls of one site rested on those of another.
//
// Decision: a document holds no guesses. The site that was begun last on this device is the
// guess (Usual), found anew while a site is measured and written only by a tap: a choice as
// an answer, a number as one by eye. Two phones then never differ by what neither was told.
// It would change if guesses had to be looked at away from the device.
//
// Trap: the store is never called inside a handler, which would wait for itself:
// Saver.Background, and back by Turns.Dispatch. A question of the browser to the
// person may stand unanswered (Firefox asks whether a page may keep things), so
// nothing waits for Persist.
package editing

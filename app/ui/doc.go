// Package ui is the parts that every screen uses: the frame, signs and names, the
// drawing, the entry with its keypad, figures and differences.
//
// Decision: a key of the keypad types when it is pressed, not when it is let go. The
// loader clicks a key with data-types at pointerdown and swallows the click that
// follows; Before and Next wait for it, and so does every key where the screen can
// scroll. WCAG 2.2 allows this for what imitates a keyboard's keys (2.5.2, note 1).
//
// Decision: a key lays out the entry alone, and its drawing itself alone. Both are
// contained blocks; laying out the whole page cost 0.5 ms at each key, twice. The
// picture is put straight into its place, and its head, with the patterns, stays
// while keys are pressed. Changing the elements that are there instead of making them
// anew took as long as reading them, and was left.
package ui

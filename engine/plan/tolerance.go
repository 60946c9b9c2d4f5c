package plan

// Tolerance is a length that no tape on site can tell from nothing, mm.
const Tolerance = 0.5

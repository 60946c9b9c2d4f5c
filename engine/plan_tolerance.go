package engine

// tolerance is a length that no tape on site can tell from nothing, mm.
const tolerance = 0.5

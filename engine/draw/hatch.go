package draw

// hatchTile is one repeat of a hatch, in units of a sixteenth of the text
// height; path is in the path language of SVG with M, L and a only.
type hatchTile struct {
	w, h float64
	path string
}

// Our own drawing of the ISO 128-50 habit: what a material looks like when cut.
var hatchTiles = [hatchCount]hatchTile{
	HatchConcrete: {26, 22, "M3 4L3.01 4M11 2L11.01 2M20 5L20.01 5M7 11L7.01 11M24 13L24.01 13M13 19L13.01 19M3 17L3.01 17M21 20L21.01 20M12 8L16 10L12.5 12.2ZM18 15L20.5 13.6L20.8 16.4ZM5.5 20L8 19L7.6 21.2Z"},
	HatchEarth:    {28, 20, "M2 10L8 2M5 11L11 3M8 12L14 4M16 20L22 12M19 20.5L25 13M14 19L16.5 16M26 8L27.5 6"},
	HatchGravel:   {20, 18, "M2 5a3 2.6 0 1 0 6 0a3 2.6 0 1 0 -6 0M12 4a2.2 2 0 1 0 4.4 0a2.2 2 0 1 0 -4.4 0M8 13a3.2 2.8 0 1 0 6.4 0a3.2 2.8 0 1 0 -6.4 0M1.5 13.5a1.8 1.6 0 1 0 3.6 0a1.8 1.6 0 1 0 -3.6 0M16.5 11a1.4 1.3 0 1 0 2.8 0a1.4 1.3 0 1 0 -2.8 0"},
	HatchSteel:    {4, 4, "M-1 1L1 -1M0 4L4 0M3 5L5 3"},
	HatchWater:    {24, 10, "M0 5L3 3.4L6 3L9 3.6L12 5L15 6.4L18 7L21 6.6L24 5"},
	HatchPavers:   {28, 20, "M0 0L28 0M0 10L28 10M7 0L7 10M21 10L21 20"},
	HatchBitumen:  {9, 9, "M-1 1L1 -1M0 9L9 0M8 10L10 8M0 0L9 9"},
}

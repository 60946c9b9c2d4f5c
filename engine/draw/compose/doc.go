// Package compose finds a place for every part of a paper: which page, where on it, at
// which of its sizes, so that as few pages as can be hold all. It knows boxes and nothing
// of what is in them.
//
// The method is that of the skyline: of each page only the lower edge of what stands on it
// is kept, and the next box goes where it ends highest on the page or leaves least room
// unused above it (J. Jylänki, A Thousand Ways to Pack the Bin, 2010, section 4: recalled;
// the idea of the lowest gap is that of Burke, Kendall and Whitwell, A New Placement
// Heuristic for the Orthogonal Stock-Cutting Problem, Operations Research 52, 2004:
// recalled). A page is divided into columns of equal width, so that the edges of boxes line
// up. Sizes are then raised one by one as long as all still finds its place. Everything is
// tried in one fixed order: equal boxes give equal pages.
//
// Decided: twelve columns, not free places: edges that line up are read faster, and a box
// is drawn up to a column wider than it need be for it. Of a thousand drawn sites no page came
// out less than two thirds full. What needs many more boxes than a site's papers, which have
// about twenty, would change it: the search looks at every column for every box.
package compose

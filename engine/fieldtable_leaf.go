package engine

// leafFields are what the leaf is made of and how it is driven.
var leafFields = []Field{}

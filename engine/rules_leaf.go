package engine

// leafRules are those of the leaf's members, its mass and its motion.
var leafRules = []Rule{}

// Package learned sets what finished jobs used against what was planned for them, and
// finds over jobs what the shop's own rules should be.
//
// # What is learned is the rule that would have told it
//
// The plan orders what is drawn and a waste more, and carts what is dug in the bank
// times its bulking. So the waste that a job teaches is used ÷ drawn − 1 and not used ÷
// ordered, and the bulking is loose ÷ bank: a plan made with the figure of its own job
// gives what that job used, whatever the rule was at the time. Both rest on the plan as
// drawn. Where depths were read it is said beside how much deeper was dug than drawn;
// that is part of the waste, for the order goes out before anybody digs.
//
// # Loads tell volume only where volume filled them
//
// Wet earth fills a trailer by weight long before its box is full. Where by the rules
// the weight asks for more loads than the volume does, or for more than were taken, the
// loads say nothing of bulking, and the job cannot be judged until a loose volume is noted. Nor do a few loads tell, of which the
// last is seldom full: how many it takes is a rule. Less loose spoil than there was
// in the bank is no bulking either: some of it stayed on site.
//
// Hours are learned for the unit for which a quote counts them, and by its tasks; what
// else was done stays in the hours of a whole job, which set no rule.
//
// # Mean of ratios, every job the same
//
// A small job teaches as much as a large one: the rule is set for both. The mean is
// offered with its spread and the median beside it. Weighting by volume was thought of
// and left, for one large job would then be the rule.
//
// # Nothing is left out but by hand
//
// The test of Grubbs names one job that stands apart. It counts until a person leaves
// it out. The test asks for seven values or more: with fewer it finds most of them odd.
// It would change if shops had hundreds of jobs, of which several may be odd at once.
package learned

package concrete

import (
	"pegpour/engine/refusal"
)

// Formwork is the area of boards around a pour, mm²: the length that needs boards
// by their height. against is how much of the perimeter stands against ground,
// kerb or slab and needs none; not more than the perimeter.
func Formwork(perimeter, against, height float64) (float64, error) {
	if err := refusal.First(length("perimeter", perimeter), length("height of the boards", height)); err != nil {
		return 0, err
	}
	if err := refusal.First(refusal.Allow("perimeter without boards", against, 0, perimeter, "mm")); err != nil {
		return 0, err
	}
	return max(0, perimeter-against) * height, nil
}

// Command list prints the texts of the module.
package main

import (
	"fmt"
	"log"
	"os"
	"strings"

	"pegpour/app/words/gather"
)

func main() {
	r, err := gather.Gather(".")
	if err != nil {
		log.Fatal(err)
	}
	for _, k := range r.Keys {
		if len(os.Args) > 1 && k.Text == os.Args[1] {
			fmt.Println(strings.Join(append(k.Where, k.Way...), "\n"))
		}
		fmt.Printf("%q\t%v\t%v\n", k.Text, k.Counted, k.Where)
	}
	for _, f := range r.Faults {
		fmt.Println("FAULT", f)
	}
	fmt.Println(r)
}

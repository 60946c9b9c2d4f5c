package storage

// nameIntoNote is a step from document version 1 to 2 as one might be: the name of a
// photo's file goes into its note, if that is empty, and is not kept otherwise. It works
// on the tree alone.
func nameIntoNote(tree map[string]any) error {
	photos, _ := tree["photos"].([]any)
	for _, p := range photos {
		photo, ok := p.(map[string]any)
		if !ok {
			continue
		}
		if name, _ := photo["name"].(string); name != "" && photo["note"] == nil {
			photo["note"] = name
		}
		delete(photo, "name")
	}
	return nil
}

// KnowVersion makes the program of a test one that knows the document versions up to
// version, 1 or 2.
func KnowVersion(version int) {
	delete(migrations, Format)
	if version == 2 {
		migrations[Format] = []migration{nameIntoNote}
	}
}

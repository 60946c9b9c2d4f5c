package sheets

// long adds the long section, where the site has levels.
func (p *paper) long() {}

// leafElevation adds the leaf shut and open with its cut lengths.
func (p *paper) leafElevation() {}

// cutList adds the members of leaf and steel footing to cut.
func (p *paper) cutList() {}

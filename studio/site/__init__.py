"""The series as a site: one page a design, and the lists, tree and feeds that lead to them."""

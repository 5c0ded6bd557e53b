"""Pages set as PDF: a page's HTML taken apart, and the press that sets it."""

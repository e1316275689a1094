"""Pictures: previews of released pages for posting, a contact sheet, a picture of each layout."""

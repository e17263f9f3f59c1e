"""Pages of the way from an invite link to a measured clip, and of taking it all back."""

"""Evidence and limits: every published effect of every lesson beside the model's own."""

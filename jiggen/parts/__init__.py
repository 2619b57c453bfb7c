"""What gets made: named parts with features at finished size, each with a meaning. One module per shop aid."""

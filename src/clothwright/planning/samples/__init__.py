"""What a sample tells by itself: its ratios, where samples disagree, its hand in the weaver's words, the verdict on its sett."""

"""What a reader sees, without markup: pages made of blocks that every renderer understands."""

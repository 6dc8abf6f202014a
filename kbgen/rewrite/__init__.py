"""What changes the files of a knowledge base by position: comments, order and line ends stay."""

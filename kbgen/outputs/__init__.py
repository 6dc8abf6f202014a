"""From one compiled knowledge base to each of its outputs, a module an output."""

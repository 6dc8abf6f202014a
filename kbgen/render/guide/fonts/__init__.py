"""The bundled fonts, and the tool that cut them."""

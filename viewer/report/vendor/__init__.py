"""Scripts of others that the page carries, each with its licence; ``origin.txt`` says where they come from."""

"""Pure science and law: numbers in, numbers out, each formula cited."""

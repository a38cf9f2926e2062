"""The saved plan: complete plain data, enough to draw, print and audit without planning again."""

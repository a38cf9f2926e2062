"""What a workshop pays and how long it takes: a file of its own, since it is nobody else's business."""

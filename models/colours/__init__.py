"""Which colour a conductor has by what it is for: conventions as data, and their reading."""

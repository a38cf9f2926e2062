"""The equipment sheet: a spreadsheet with one row a device, read, checked, and turned into devices and circuits."""

"""The heat balance of a bundle: what it gives off to the air, how hot its middle gets, what one of its runs may carry."""

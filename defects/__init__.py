"""What is wrong, who mends it, who checks it, and on what evidence it was closed."""

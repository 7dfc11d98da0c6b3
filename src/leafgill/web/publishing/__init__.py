"""What is published to the home network, and a permission for gas that can only be withdrawn."""

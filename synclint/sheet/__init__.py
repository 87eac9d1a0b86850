"""What the crew takes along: pictures of the rig and its days."""

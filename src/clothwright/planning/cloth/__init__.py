"""How the cloth is threaded and how it will look: drafts with the yarns of the plan, the picture of its face, the face on the pieces."""

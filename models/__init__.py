"""What lies on disk: the project file in, the plan out. Imports nothing of ours, no arrays and no meshes."""

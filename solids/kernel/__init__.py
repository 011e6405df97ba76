"""The two kernels: manifold3d meshes to measure on, CadQuery solids to send."""

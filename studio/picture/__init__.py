"""A picture and meshes of the finished piece, made from its geometry.

:mod:`studio.picture.files` is the way in. :mod:`~studio.picture.tones` holds the colours of woods,
:mod:`~studio.picture.strokes` lines and arcs in a plane, :mod:`~studio.picture.scene` how far any
place in space is from the wood, :mod:`~studio.picture.grain` growth rings as a solid texture,
:mod:`~studio.picture.camera` and :mod:`~studio.picture.shading` the picture,
:mod:`~studio.picture.solids` and :mod:`~studio.picture.mesh_files` the meshes. Only the
tones may be imported without loading numpy.
"""

//! Load kernels and sensors: the part that touches the machine's silicon.

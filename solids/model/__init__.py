"""What a piece is: plain values in millimetres and degrees, with no kernel behind them."""

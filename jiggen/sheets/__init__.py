"""Where parts lie: stock, bed, placing and cutting order."""
